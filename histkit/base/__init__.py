"""The plain nouns, errors, grids, tables on disk and files written in one step; nothing of ours beneath it."""
