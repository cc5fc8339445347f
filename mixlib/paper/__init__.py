"""Print sheets: the only room that imports matplotlib."""
