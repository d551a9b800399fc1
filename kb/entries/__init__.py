"""Entry files: one TOML file to one Entry, the folder of them, and every check a folder must pass."""
