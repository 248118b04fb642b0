"""The lists of a season: opened from a compiled procedure, carried out and closed.

Whoever compiles a list hands it in (`compiled.Compiled`); `queries` and `beside` read,
the other modules write. Every writer holds its list for the transaction, so that a
report and the closing of a list never cross.
"""
