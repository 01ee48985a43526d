"""Tests of the workbench."""
