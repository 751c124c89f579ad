"""The journal's pieces as times, and the pace that they give."""
