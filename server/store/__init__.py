"""The database: tables, migrations, sessions; frozen records come out."""
