"""Sites, their parts and the compressors: `store` writes, `queries` reads.

``now`` is an argument of every writer; the faces take it from the clock.
"""
