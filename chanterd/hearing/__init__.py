"""From MIDI bytes to onsets: ports, files, devices and the simulated player on one side, ``Onset`` on the other."""
