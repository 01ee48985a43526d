"""Fitting an aircraft file to published distances, and saying where it does not fit."""
