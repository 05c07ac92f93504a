"""tankside bath: words of the bath's use cases, in and out."""
