;; Changes piece 4,294,967,295 of a question that has twelve: answer-malformed.
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (i32.const 1024))
(data (i32.const 1024) "\00\00\00\00" "\00\06\00\00" "\01\00\00\00" "\d0\07\00\00" "\01\00\00\00")
;; Piece, off, movement, times, measure and sides; low, high, first load, top load, effort, range, reason.
(data (i32.const 1536)
  "\ff\ff\ff\ff" "\01\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00"
  "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\64\00\00\00" "\00\00\00\00")
(data (i32.const 2000) "\00\09\00\00" "\04\00\00\00" "\10\09\00\00" "\12\00\00\00")
(data (i32.const 2304) "ease")
(data (i32.const 2320) "Lighter for today.")
