"""People: who belongs to an account, in which role, and what that role may do."""
