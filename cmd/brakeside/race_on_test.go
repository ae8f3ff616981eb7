//go:build race

package main

// raced: the race detector looks on, and everything takes ten times as long.
const raced = true
