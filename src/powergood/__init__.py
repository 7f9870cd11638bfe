"""powergood: find what is wrong with an old computer, safely, and keep the record of it."""

__version__ = "0.1.0"
