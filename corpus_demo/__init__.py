"""An invented maker's papers, and the script that draws them."""
