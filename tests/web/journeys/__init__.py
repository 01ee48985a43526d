"""Journeys through the page in a real browser."""
