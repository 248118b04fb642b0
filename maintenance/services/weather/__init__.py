"""The weather of sites: stations, forecasts, what was observed, outlooks.

Files are read, and the weather service is asked, by the faces; here it is kept.
"""
