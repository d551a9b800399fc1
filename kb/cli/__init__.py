"""The command line: parses, calls the Desk, prints. One face of two; no knowledge of its own."""
