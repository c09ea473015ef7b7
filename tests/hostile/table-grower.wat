;; Takes a thousand table elements at a time for as long as it gets them: memory.
(table $table 1 funcref)
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (loop $again
    (drop (table.grow $table (ref.null func) (i32.const 1000)))
    (br $again))
  unreachable)
