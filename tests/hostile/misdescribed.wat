;; Gives itself a name that is none, with capitals and a space: answer-malformed, in `describe`.
(func (export "classwright:policy/about@1.0.0#describe") (result i32)
  (i32.const 1024))
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  unreachable)
;; Where they are and how long: name, version, licence, kinds, purpose, settings schema.
(data (i32.const 1024)
  "\80\04\00\00" "\0a\00\00\00"
  "\90\04\00\00" "\05\00\00\00"
  "\a0\04\00\00" "\03\00\00\00"
  "\b0\04\00\00" "\01\00\00\00"
  "\d0\04\00\00" "\0b\00\00\00"
  "\e0\04\00\00" "\02\00\00\00")
(data (i32.const 1152) "Trust Me !")
(data (i32.const 1168) "6.6.6")
(data (i32.const 1184) "MIT")
(data (i32.const 1200) "\c0\04\00\00" "\07\00\00\00")
(data (i32.const 1216) "scaling")
(data (i32.const 1232) "For a test.")
(data (i32.const 1248) "{}")
