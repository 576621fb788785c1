"""From facts to verdicts: windows, the engine, and what follows from both."""
