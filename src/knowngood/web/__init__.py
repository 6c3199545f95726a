"""Pages for the phone under the car and the laptop on the bench."""
