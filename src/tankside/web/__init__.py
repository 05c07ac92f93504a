"""The workbench page: one frame, one file a page; it translates words and computes nothing."""
