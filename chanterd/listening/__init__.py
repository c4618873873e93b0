"""Which ornament was that? Ornaments, and passages of a drill, out of onsets alone. Pure: no clock, no port."""
