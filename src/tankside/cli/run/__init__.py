"""tankside run, an action a module: begin, go, by hand, and what is asked of a run afterwards."""
