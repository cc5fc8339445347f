"""A room on one laptop: visitors read and try the lessons on what they carry, without an account."""
