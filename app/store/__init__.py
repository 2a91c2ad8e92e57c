"""What is kept: entries, photos, people, settings, and the index that pages and search read."""
