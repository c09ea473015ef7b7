;; More bytes of changes than an answer may have: answer-too-large, before they are read.
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (i32.const 1024))
(data (i32.const 1024) "\00\00\00\00" "\00\10\00\00" "\e8\03\00\00" "\00\00\00\00" "\00\00\00\00")
