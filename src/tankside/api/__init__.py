"""The REST API: everything that the pages do, as JSON with a description in OpenAPI."""
