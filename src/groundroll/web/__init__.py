"""The workbench: a JSON API with the answers of the commands, and the page built from `webui/`."""

from __future__ import annotations
