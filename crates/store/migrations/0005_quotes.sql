-- What a job was quoted at, with the golfer's yes.

ALTER TABLE job ADD COLUMN quote TEXT;
