"""The brief: one page to hold in the hand, from one content, as PDF, HTML or text."""
