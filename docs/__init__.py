"""Papers for the keeper, and the scripts that make some of them and the demo room."""
