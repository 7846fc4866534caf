"""The steps from each schema of the data file to the next, run by Alembic."""
