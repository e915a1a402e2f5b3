"""The figures of one strike, each with its budget, and what stands of them."""
