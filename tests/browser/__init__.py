"""The page in a real browser: a package of its own, so that the browser its tests share is gone when they are done."""
