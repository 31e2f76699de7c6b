// Package api serves the library over HTTP with gin. The contract is
// openapi.yaml in the root folder; a test holds every answer to it.
//
// What an answer says is worked out in package api/answer, which the command
// uses as well; here are only the ways of HTTP: routes, reading, limits, faults
// as problem+json (RFC 9457), metrics and the life of the server.
//
// Reading is strict. An unknown key or parameter, a key given twice, null for a
// number, text after the value: each is a fault of its own, with its pointer.
// Every answer is encoded whole before its first byte is written.
//
// Fair places: package gate. Long questions and many boards: package jobs keeps
// them, questions.go and worker.go say what they ask. A Go program asks with
// package client.
//
// Missing: 1. TLS (put a proxy in front). 2. limits by the bytes a client sends
// over time.
package api
