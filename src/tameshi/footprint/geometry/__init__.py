"""The paper's plane in the picture, the lens before it, and rectangles on the paper."""
