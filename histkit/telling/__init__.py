"""Old beside new: what is to be shown, and the words that go with it."""
