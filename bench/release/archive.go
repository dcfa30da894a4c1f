package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"io"
	"io/fs"
	"strings"
	"time"
)

// file is one file of an archive; a folder's name ends with a slash.
type file struct {
	name  string
	mode  fs.FileMode
	bytes []byte
}

// tarred packs files in the order given, all of one time and owned by root.
func tarred(files []file, when time.Time) ([]byte, error) {
	var plain bytes.Buffer
	w := tar.NewWriter(&plain)
	for _, f := range files {
		h := &tar.Header{
			Typeflag: tar.TypeReg, Name: f.name, Mode: int64(f.mode), Size: int64(len(f.bytes)), ModTime: when,
			Uname: "root", Gname: "root", Format: tar.FormatUSTAR,
		}
		if strings.HasSuffix(f.name, "/") {
			h.Typeflag = tar.TypeDir
		}
		if err := w.WriteHeader(h); err != nil {
			return nil, err
		}
		if _, err := w.Write(f.bytes); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return packed(plain.Bytes())
}

// packed packs bytes as gzip -9n does: without a name or a time.
func packed(b []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err == nil {
		_, err = w.Write(b)
	}
	if err == nil {
		err = w.Close()
	}
	return out.Bytes(), err
}

// zipped packs files in the order given, all of one time.
func zipped(files []file, when time.Time) ([]byte, error) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	w.RegisterCompressor(zip.Deflate, func(to io.Writer) (io.WriteCloser, error) {
		return flate.NewWriter(to, flate.BestCompression)
	})
	for _, f := range files {
		h := &zip.FileHeader{Name: f.name, Method: zip.Deflate, Modified: when}
		h.SetMode(f.mode)
		entry, err := w.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := entry.Write(f.bytes); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return out.Bytes(), err
}
