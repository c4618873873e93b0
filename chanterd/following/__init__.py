"""Which asked step was that? Streaming alignment of onsets with the steps of a drill. Pure: no clock, no port."""
