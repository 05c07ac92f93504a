"""The drawing of a rig by which a person hangs a part: three views to one scale, with lengths."""
