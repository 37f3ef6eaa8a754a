"""From files to models: job, shop, crib, plan, tables; every fault of a file at once, with its place."""
