"""The forms: questions in words, answers as texts for the engine to read."""
