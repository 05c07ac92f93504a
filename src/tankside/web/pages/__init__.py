"""One file a page; each calls use cases and fills its template."""
