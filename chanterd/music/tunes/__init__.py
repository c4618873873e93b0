"""Tunes as written: read from ABC and MusicXML, with every ornament in them named."""
