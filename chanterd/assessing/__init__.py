"""From a recording to its assessment."""
