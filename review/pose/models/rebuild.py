"""Rebuilds the pose bundles from the published weights and compares them with those shipped.

Run by hand, never by the product. Unpack the npm package that ``PROVENANCE.md`` names, then::

    python review/pose/models/rebuild.py FOLDER_OF_THE_PACKAGE

Adds to each network the normalisation of its input, which the tasks interface asks for, and zips the two networks
without compression; the weights are not touched.
"""

import hashlib
import io
import struct
import sys
import zipfile
from pathlib import Path
from typing import Any

import flatbuffers
from mediapipe.tasks.metadata import metadata_schema_py_generated as metadata_schema
from mediapipe.tasks.metadata import schema_py_generated as schema

HERE = Path(__file__).parent
ASSETS = "pose_solution_packed_assets.data"
_ALIGNED, _ZIP_HEADER, _EXTRA_HEADER = 64, 30, 4
_NO_DATE = (1980, 1, 1, 0, 0, 0)


def normalised(network: bytes, name: str, mean: float, sd: float) -> bytes:
    """Return a network with the normalisation of its input written into it."""
    model = schema.ModelT.InitFromObj(schema.Model.GetRootAsModel(network, 0))
    buffer = schema.BufferT()
    buffer.data = _pack(_describe(name, mean, sd, len(model.subgraphs[0].outputs)), b"M001")
    model.buffers.append(buffer)
    entry = schema.MetadataT()
    entry.name, entry.buffer = "TFLITE_METADATA", len(model.buffers) - 1
    model.metadata = [*(model.metadata or []), entry]
    return _pack(model, b"TFL3")


def _describe(name: str, mean: float, sd: float, n_outputs: int) -> Any:
    options = metadata_schema.NormalizationOptionsT()
    options.mean, options.std = [mean], [sd]
    unit = metadata_schema.ProcessUnitT()
    unit.optionsType, unit.options = metadata_schema.ProcessUnitOptions.NormalizationOptions, options
    picture = metadata_schema.TensorMetadataT()
    picture.name, picture.processUnits, picture.stats = "image", [unit], metadata_schema.StatsT()
    picture.stats.min, picture.stats.max = [(0.0 - mean) / sd], [(255.0 - mean) / sd]
    picture.content = metadata_schema.ContentT()
    picture.content.contentPropertiesType = metadata_schema.ContentProperties.ImageProperties
    picture.content.contentProperties = metadata_schema.ImagePropertiesT()
    picture.content.contentProperties.colorSpace = metadata_schema.ColorSpaceType.RGB
    outputs = []
    for i in range(n_outputs):
        output = metadata_schema.TensorMetadataT()
        output.name, output.content = f"output{i}", metadata_schema.ContentT()
        output.content.contentPropertiesType = metadata_schema.ContentProperties.FeatureProperties
        output.content.contentProperties = metadata_schema.FeaturePropertiesT()
        outputs.append(output)
    graph = metadata_schema.SubGraphMetadataT()
    graph.inputTensorMetadata, graph.outputTensorMetadata = [picture], outputs
    described = metadata_schema.ModelMetadataT()
    described.name, described.description, described.minParserVersion = name, "input normalisation", "1.0.0"
    described.subgraphMetadata = [graph]
    return described


def _pack(thing: Any, identifier: bytes) -> bytes:
    builder = flatbuffers.Builder(1024)
    builder.Finish(thing.Pack(builder), identifier)
    return bytes(builder.Output())


def find_detector(package: Path) -> bytes:
    """Read the person detector: the only file inside the package's assets."""
    return (package / ASSETS).read_bytes()


def bundle(detector: bytes, landmarks: bytes) -> bytes:
    """Zip the two networks under the names that the tasks interface looks for, each beginning at a multiple of 64."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as archive:
        for name, network in (("pose_detector.tflite", detector), ("pose_landmarks_detector.tflite", landmarks)):
            entry = zipfile.ZipInfo(name, _NO_DATE)
            padding = -(packed.tell() + _ZIP_HEADER + len(name)) % _ALIGNED
            padding += _ALIGNED if 0 < padding < _EXTRA_HEADER else 0
            if padding:
                entry.extra = struct.pack("<HH", 0xFFFF, padding - _EXTRA_HEADER) + bytes(padding - _EXTRA_HEADER)
            archive.writestr(entry, network)
    return packed.getvalue()


def main() -> int:
    """Rebuild both bundles; 0 when they are those shipped."""
    if len(sys.argv) != 2:
        sys.stdout.write(__doc__ or "")
        return 2
    package = Path(sys.argv[1])
    detector = normalised(find_detector(package), "pose detector", 127.5, 127.5)
    same = True
    for model in ("full", "heavy"):
        network = (package / f"pose_landmark_{model}.tflite").read_bytes()
        built = bundle(detector, normalised(network, "pose landmarks", 0.0, 255.0))
        shipped = (HERE / f"pose_{model}.task").read_bytes()
        same = same and built == shipped
        sys.stdout.write(
            f"{model}: {hashlib.sha256(built).hexdigest()} {'same' if built == shipped else 'DIFFERENT'}\n"
        )
    return 0 if same else 1


if __name__ == "__main__":
    sys.exit(main())
