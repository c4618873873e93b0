"""What is to be played: notes, fingering, ornaments, drills, the tempo grid.

Pure: known to every room, knows no room.
"""
