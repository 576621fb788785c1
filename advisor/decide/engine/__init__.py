"""The forward-chaining engine, and the plain tracer that explains and checks it."""
