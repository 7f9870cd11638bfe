"""The pages: each reads its request, calls one function of the bench, and renders what it returns."""
