"""The parts of `make_demo`: facts, a keeper, a story, and the days in order."""
