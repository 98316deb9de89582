"""What the API shows, part by part: each serializer is both the answer and its schema."""
