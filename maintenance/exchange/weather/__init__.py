"""Weather records as text: daily series in the formats that archives give out."""
