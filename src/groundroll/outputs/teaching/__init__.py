"""Lessons and exercises as pages, slides, sheets and question files."""
