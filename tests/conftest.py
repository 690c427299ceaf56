"""How far the property tests look: the same examples every day, or others each time.

The daily run draws the same examples until a test is changed, so that a run
that passed passes again. `pytest --hypothesis-profile=wide` draws new ones, and
keeps what it found to try it first the next time.
"""

from hypothesis import settings

settings.register_profile("daily", derandomize=True)
settings.register_profile("wide", derandomize=False)
settings.load_profile("daily")
