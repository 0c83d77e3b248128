"""From the model to text, pages and other people's formats; nothing is computed here."""
