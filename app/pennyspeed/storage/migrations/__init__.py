"""Steps from one revision of the database to the next; see DEVELOPERS.md for adding one."""
