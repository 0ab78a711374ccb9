// Package chart draws a forecast as SVG. It gets a writer and touches no file.
//
// Every chart has a title and a description for those who hear it, tells
// nothing by colour alone (lines differ in dash, areas in texture, marks in
// words), prints in grey, needs no script and no network, and is the same
// bytes for the same forecast. Text is text. Charts are drawn for a width in
// CSS pixels, so that letters keep their size: a page shows a narrow drawing on
// a phone and a wide one on a desk or on paper.
//
// One vocabulary serves them all: a drawing (drawing.go), scales for
// days and amounts (scale.go), and the marks band, line, ribbon, flag and key
// (mark.go). Colours stand in style.go and nowhere else.
//
// Success criteria after the Web Content Accessibility Guidelines 2.2 (from
// memory): 1.1.1 text alternative, 1.4.1 use of colour, 1.4.3 contrast of text
// 4.5:1, 1.4.11 contrast of graphics 3:1.
package chart
