"""The one driver: live, headless, practice, resumed; and the replay over the same fold."""
