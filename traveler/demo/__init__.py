"""The demo shop: invented jobs, people and metal, made by the acts like any other shop's."""
