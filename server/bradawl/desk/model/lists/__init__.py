"""Lists that somebody kept elsewhere (CSV, XLSX), read into the parts list."""
