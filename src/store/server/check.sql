-- What contradicts itself within a book, in words; nothing where nothing does. What the
-- rows of fasteners and ledger say is compared with a read image besides.
WITH book AS (SELECT * FROM clampbook.book),
-- Each row of the ledger with its change: the generation that this made, and its own.
logged AS (
    SELECT place, change, changes.generation AS made,
        coalesce(row->'ledger'->'past', row->'ledger'->'step')->>'generation' AS own,
        row->'ledger'->'past'->'new'->>'key' AS key
    FROM clampbook.ledger LEFT JOIN clampbook.changes ON changes.id = ledger.change),
-- The first may be that of a copy, which brings older rows along.
first AS (SELECT change FROM logged WHERE place = 1)
SELECT 'its last change is none of `changes`' FROM book
    WHERE (change, generation) NOT IN (SELECT id, generation FROM clampbook.changes)
UNION ALL SELECT 'a row of `ledger` belongs to another generation than its change in `changes`'
    FROM (SELECT *, lag(made) OVER (ORDER BY place) AS before FROM logged) AS each
    WHERE made IS NULL OR made < before OR own::bigint > made
    OR own::bigint < made AND change NOT IN (SELECT change FROM first)
UNION ALL SELECT 'a place of `ledger` is left out' FROM clampbook.ledger
    HAVING count(*) <> coalesce(max(place), 0) OR min(place) < 1
UNION ALL SELECT 'a row of `fasteners` has a generation that is none of `changes`'
    FROM clampbook.fasteners WHERE generation NOT IN (SELECT generation FROM clampbook.changes)
UNION ALL SELECT 'a row of `fasteners` has an older generation than its history'
    FROM clampbook.fasteners JOIN logged ON key = row->'fastener'->>'key'
    WHERE own::bigint > generation
UNION ALL SELECT 'its lubes and strengths have a generation that is none of `changes`' FROM book
    WHERE reference_generation NOT IN (SELECT generation FROM clampbook.changes)
UNION ALL SELECT 'it counts other fasteners than it has' FROM book,
    (SELECT count(row) AS rows, max(number) AS last,
        sum(coalesce(jsonb_array_length(row->'fastener'->'settings'), 0)) AS settings
    FROM clampbook.fasteners) AS held
    WHERE (rows, coalesce(held.settings, 0)) <> (fasteners, book.settings) OR last >= next
LIMIT 1
