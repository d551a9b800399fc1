"""What goes out of the store and comes into it as files: tables and packs."""
