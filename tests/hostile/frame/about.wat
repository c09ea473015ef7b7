;; What a policy of these tests says of itself where it says nothing else. Bytes 0 to 1023 are this file's; a policy
;; lays its answer out from 1024 on.
(func (export "classwright:policy/about@1.0.0#describe") (result i32) (i32.const 16))
;; Where they are and how long: name, version, licence, kinds, purpose, settings schema.
(data (i32.const 16)
  "\80\00\00\00" "{name-length}"
  "\c0\00\00\00" "{version-length}"
  "\d0\00\00\00" "\03\00\00\00"
  "\40\00\00\00" "\01\00\00\00"
  "\e0\00\00\00" "\0b\00\00\00"
  "\f0\00\00\00" "\02\00\00\00")
(data (i32.const 64) "\00\01\00\00" "{kind-length}")
(data (i32.const 128) "{name}")
(data (i32.const 192) "{version}")
(data (i32.const 208) "MIT")
(data (i32.const 224) "For a test.")
(data (i32.const 240) "{}")
(data (i32.const 256) "{kind}")
