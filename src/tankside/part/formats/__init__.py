"""One module for each file format: bytes in, a `FileMesh` out, in the numbers of the file."""
