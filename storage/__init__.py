"""The data file: typed rows, units of work, migrations, cook documents and backups."""
