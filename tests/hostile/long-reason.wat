;; A reason of 301 characters where 300 are taken (so that its text has letters, it writes them first):
;; answer-malformed.
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (memory.fill (i32.const 4096) (i32.const 120) (i32.const 301))
  (i32.const 1024))
(data (i32.const 1024) "\00\00\00\00" "\00\06\00\00" "\01\00\00\00" "\d0\07\00\00" "\01\00\00\00")
;; Piece, off, movement, times, measure and sides; low, high, first load, top load, effort, range, reason.
(data (i32.const 1536)
  "\00\00\00\00" "\01\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00"
  "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\64\00\00\00" "\00\00\00\00")
(data (i32.const 2000) "\00\09\00\00" "\04\00\00\00" "\00\10\00\00" "\2d\01\00\00")
(data (i32.const 2304) "ease")
