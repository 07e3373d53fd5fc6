"""What every report says: rows, words, sentences, cautions."""
