"""The command line: read, compute, show, store."""
