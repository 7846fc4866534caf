"""One file a step; the number in its name is the schema it leads to."""
