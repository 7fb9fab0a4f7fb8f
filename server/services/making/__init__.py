"""What a thing is made of and how: the rack, the irons' blows, thread, cost, the work sheet."""
