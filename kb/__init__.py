"""The knowledge base of oddfix: records, store, search and commands. It never imports the screens."""
