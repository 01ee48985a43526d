"""What this program gives, beside what has been published."""
