"""The commands of the sums, called as the user calls them."""
