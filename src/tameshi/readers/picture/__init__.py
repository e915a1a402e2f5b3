"""What reading a picture takes besides its library: deep colours, HEIC, colour profiles, several pictures."""
