"""Moving pictures of rolls: drawing, encoding, subtitles."""
