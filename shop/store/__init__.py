"""The store: tables, and functions that take a session. SQLAlchemy lives here and nowhere else."""
