"""From shares to what is pressed, weighed and tried at the bench."""
