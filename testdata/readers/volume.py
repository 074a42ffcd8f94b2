"""Reads a .vti volume with VTK and prints what it finds as JSON; values that are not finite are null.

    /usr/bin/python3 volume.py FILE
"""
import json
import math
import sys

import vtk


def values(array):
    names = [array.GetValue(i) if array.IsA("vtkStringArray") else array.GetTuple1(i) for i in range(array.GetNumberOfTuples())]
    return [None if isinstance(v, float) and not math.isfinite(v) else v for v in names]


def arrays(data):
    found = [data.GetAbstractArray(i) for i in range(data.GetNumberOfArrays())]
    return {a.GetName(): {"type": a.GetDataTypeAsString(), "values": values(a)} for a in found}


reader = vtk.vtkXMLImageDataReader()
if not reader.CanReadFile(sys.argv[1]):
    sys.exit(sys.argv[1] + ": VTK cannot read it")
reader.SetFileName(sys.argv[1])
reader.Update()
image = reader.GetOutput()
print(json.dumps({
    "extent": image.GetExtent(),
    "spacing": image.GetSpacing(),
    "origin": image.GetOrigin(),
    "cells": arrays(image.GetCellData()),
    "field": arrays(image.GetFieldData()),
}))
