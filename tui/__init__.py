"""The screens of oddfix. They show what the Desk answers; they decide nothing."""
