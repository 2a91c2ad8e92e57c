"""What the phone talks to: session, the one exchange of entries, and photos by their SHA-256."""
